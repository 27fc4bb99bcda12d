"""Teaching from a plan: exercises without names, keys worked line by line, mistakes to find."""
