"""What does she do, step by step, and what does it take of time, stuff and money?"""
