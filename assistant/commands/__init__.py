"""The commands, a few to a module; each is thin, and the rooms below do the work."""
