"""Small things that screens are made of; each draws one frozen record and knows nothing else."""
