"""Loose sheets: which belongs to which tape?"""
