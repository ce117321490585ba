"""The session on disk: written and synced before it is said, read back whatever happened to it."""
