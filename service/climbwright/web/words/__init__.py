"""Words: what each code of the answers says, with its numbers in the reader's units."""
