"""Scoring: sounds aligned, judged and counted; counts add; measures and intervals are arithmetic on them.

alignment -> judging -> measures -> bulk.
"""
