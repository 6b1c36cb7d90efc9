"""Does it hang as drawn, and what carries what?"""
