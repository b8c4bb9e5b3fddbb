"""One function a published measure, bands, and how sure a figure is."""
