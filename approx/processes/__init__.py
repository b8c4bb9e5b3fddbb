"""Processes: one rule set and one search, to simplify, climb, explain, accept and predict.

rules -> engine -> simplify, explain, accept -> predict -> doctor.
"""
