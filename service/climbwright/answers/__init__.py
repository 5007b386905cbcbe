"""What a builder asks: performance, comparison, estimates, with their spreads and cautions.

Everything handed up is SI, a code or a name; units and words are the web's.
"""
