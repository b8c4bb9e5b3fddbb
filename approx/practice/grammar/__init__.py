"""Who does what to what, in words: kinds of things, verbs, frames, adult sentences, and single steps of grammar.

What both languages share stands here; each language has a folder of its own below.
"""
