"""Tonight: what do I do now?"""
