"""A song in time: how does every capture lie on its clock, and how sure is it?"""
