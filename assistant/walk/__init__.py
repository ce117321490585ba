"""The walk: a flow and what was heard become turns and events; no sound, clock or file."""
