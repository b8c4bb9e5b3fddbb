"""A transcribed sample: any table read into tokens, each change and each row left out named.

columns -> files -> cells -> rows; what all of them share stands here.
"""
