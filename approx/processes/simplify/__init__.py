"""Simplify and climb: the nearest forms a child can say, and the ladder back to the adult word."""
