"""Furniture stages: which sections are worked in which order, and where every piece stands meanwhile.

It knows places and pieces, not jobs. The order is searched best first with a bound on every start of an order; a
complete order is bounded by prices on floor (Lagrangian relaxation) and then solved as it is by a small model. What is
shown is a plan that can be stood, how low the cost could be at best, and whether that is proved.
"""
