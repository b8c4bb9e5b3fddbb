"""Charts as SVG, made without network, for screen and paper."""

__all__ = ["grid_svg", "progress_chart"]
