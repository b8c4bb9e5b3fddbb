"""Which sound of a production stands for which sound of its target, and what each link costs."""
