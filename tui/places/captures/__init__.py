"""Captures: is what was played really there?"""
