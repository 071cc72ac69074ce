"""Furniture stages: which sections are worked in which order, and where every piece stands meanwhile.

It knows places and pieces, not jobs. The order is searched best first with a bound on every start of an order; a
complete order is bounded by prices on floor (Lagrangian relaxation) and then solved as it is by a small model. What is
shown is a plan that can be stood, how low the cost could be at best, and whether that is proved. Where there is none, the
least of each rule that would have to be given up is named.

The doors: `model` (a house and its plan), `search.solve`, `standing.standing` (the rectangles of every stage), `carrying`
(the order within a stage), `no_way.what_would_open`.
"""
