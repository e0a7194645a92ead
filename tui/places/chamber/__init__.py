"""The chamber: what is in it, and what is due?"""
