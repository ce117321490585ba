"""What a flow file says: the model, the vocabulary, loading with line numbers, linking, safety."""
