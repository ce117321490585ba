"""What is wrong with a flow before anyone walks it: one small function a check, one table."""
