"""How are quantities, words and notes read and written the same everywhere?"""
