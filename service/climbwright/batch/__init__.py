"""Whole files of rows answered by a command: in partitions, resumable, here or on a cluster."""
