"""Charts as SVG, made without network, for screen and paper."""
