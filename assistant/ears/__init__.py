"""Sound to words: microphone, files, typed lines; endpointing; recognisers."""
