"""What does the program know about a piece, in a form that other programs can read?"""
