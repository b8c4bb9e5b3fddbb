"""What pages need before they can be drawn, and forms turned into what the packages below take."""
