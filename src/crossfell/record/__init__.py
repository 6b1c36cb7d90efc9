"""What was really done at the loom, and what does that teach?"""
