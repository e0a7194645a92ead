"""The week: does it all fit?"""
