"""Words: kinds and numbers become sentences, here and nowhere else."""
