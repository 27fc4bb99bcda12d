"""Many jobs as one piece of work: the day's pack, processes that share it out, values on disk."""
