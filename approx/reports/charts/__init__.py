"""Charts as SVG, made without network, for screen and paper."""

__all__ = ["bars_svg", "grid_svg", "progress_chart"]
