"""An index over the sessions of a whole shop, and the questions a lead asks of it.

The folders of the sessions are the truth; the index is made from them, is made anew from them, and
says nothing that they do not say.
"""
