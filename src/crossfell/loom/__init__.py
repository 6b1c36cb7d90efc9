"""How is the loom set: weights, shed, bobbins, let-off?"""
