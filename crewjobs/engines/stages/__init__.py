"""A job's furniture stages: what takes floor in its house, what may be worked when, and the plan found told in the house's own
places. The search itself, which knows places and pieces only, is `moving`.
"""
