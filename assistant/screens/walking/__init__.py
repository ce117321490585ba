"""Walking by text: what one screen shows of a walk, and the thread that walks beside it."""
