"""The formulas of the trade, one file a subject, pure: floats in, floats out.

A formula is named for what it gives, with its unit at the end (`under_load_uf`), and so are its
parameters. Each says its source with a mark: *standard*, *handbook*, *identity* (arithmetic or
physics), *common practice, no source*, or *from memory*. `formulas.py` is the table of those that
a flow can name.
"""
