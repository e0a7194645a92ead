"""Songs: what will I have?"""
