"""What does a new draft look like, before she changes it?"""

from __future__ import annotations

STARTER = '''\
# A piece for Crossfell. Lines that begin with # are remarks: change whatever you like.
measure = "mm"                     # what a bare number of length means: mm, cm, m or in

[piece]
title      = "A first piece"
woven_from = "bottom"              # the end of the hung piece that is woven first, or "top"
wall       = { width = 900, height = 1600 }

[yarn.slate]                       # one table for each yarn
count  = "lea 16/2"                # or "tex 207", "Nm 9.7/2", "Ne 8/2", …
fibre  = "linen"
colour = "#4a5560"
price  = "46.00 per kg"
put_up = "250 g"                   # how it is sold

[yarn.chalk]
count  = "lea 16/2"
fibre  = "linen"
colour = "#d9d2c0"
price  = "46.00 per kg"
put_up = "250 g"

[strip.inch]                       # a strip of rigid heddle carries one unit
width = "1 in"
dents = 18                         # slots and holes together: one end in each
first = "hole"                     # the leftmost dent

[unit.a]
strip = "inch"
ends  = "18 slate"                 # left to right, face forward; "9 slate, 9 chalk" shows a turn

[unit.b]
strip = "inch"
ends  = "18 chalk"

[warp]
pitch = 28                         # from place to place
order = "a*4 b*4 a*4"              # from the weaver's left; "-" is an empty place

[band]                             # every band; [band.first] and [band.last] can differ
picks = "3, rod, 3"
weft  = "slate"
rod   = "steel 3"                  # material and diameter

[hang]
cords = "least bending"            # or places from the left end of the top rod: [80, 290]

[stock]
rod_price    = ["steel 3: 4.20"]
heddle_price = "34.00"

[adhesive]
price = "18.00"

[figure.eye]                       # moves with a name, four places wide and two spans high
places = 4
spans  = ["1-2 over 3-4", "2 under 3"]

[[span]]                           # the open warp between two bands, woven in this order
height = 150
moves  = """
1-2 over 3-4
11-12 over 9-10
"""

[[span]]
height = 150
moves  = "eye at 5"

[[span]]                           # the eye runs on here by itself
height = 120
moves  = """
turn 1 right
turn 12 left
"""
'''
