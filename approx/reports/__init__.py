"""Tables, pages and documents of what the lower packages computed; computes nothing itself."""
