"""Words to sound: speech synthesis in a process that can be killed, playing, and printed lines."""
