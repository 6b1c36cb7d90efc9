"""How does she draft by hand in the browser?"""
