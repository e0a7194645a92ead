"""The album: is it full, does it fit, what is missing, who must be asked?"""
