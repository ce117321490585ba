"""Simulated units with known faults, which answer the way a meter, an eye or a hand would.

A unit is a data file (`units/`), a fault is a list of changes to a unit (`faults.yaml`). From the
changed unit the physics gives everything that can be read: ohms by nodal analysis, running values
by revolving fields, heat, air, the control circuit. `stand.py` gathers it under the place names of
the vocabulary.
"""
