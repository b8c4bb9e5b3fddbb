"""Rules as data: notation, keys, the set in use, names of processes, published ages."""
