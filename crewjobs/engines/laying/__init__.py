"""Plank floors row by row: how many planks a floor truly takes, and which cut starts which row.

It knows fields, planks and rules, not jobs or screens. A field becomes rows, rows become runs; a run of given length is
settled by the length of its first piece alone, and an end piece and a start piece come from one plank where both fit. So a
layout is one number a run, the best pairing of its pieces is a sort, and the search is over those numbers. What is
returned is a layout that can be laid, how few planks it could be at best, and whether that is proved.

The doors: `model` (product, field, layout), `floors.floor_of` (fields to rows, runs and a problem), `search.Search` (the fewest
planks, then the most forgiving cuts), `cut_list`, `replanning`, `fixtures`, `directions`; `tiles`, `mixed_lengths` and
`patterns` for floors that are no rows of equal planks.
"""
