"""What is the next step, and how is she led through it at the loom?"""
