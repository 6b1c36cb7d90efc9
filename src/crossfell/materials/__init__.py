"""What are yarns, rods, bands and adhesive, by their published values?"""
