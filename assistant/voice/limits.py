"""How slow, fast, soft and loud a voice may be: what can be followed, and what can be heard."""

SLOWEST, FASTEST = 105, 285
"""Words a minute."""
QUIETEST, LOUDEST = 0.2, 1.0
"""Of all the loudspeaker can give; a voice that nobody hears would ask in vain."""
