"""Fleets: tables of configurations and conditions in, the answers as columns out."""
