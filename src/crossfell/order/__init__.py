"""Who crosses whom, over or under, and what lies where at every band?"""
