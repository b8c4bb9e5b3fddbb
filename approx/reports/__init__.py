"""Tables, pages and documents of what the other rooms computed; computes nothing itself."""
