"""What one child can say: the profile, its file, and (from a sample) its inventory."""

from approx.child.child_file import read_child_file, read_child_text, read_table
from approx.child.profile import LEFT_OFF, Limits, Profile, WordHeard
from approx.child.search_limits import limits

__all__ = ["LEFT_OFF", "Limits", "Profile", "WordHeard", "limits", "read_child_file", "read_child_text", "read_table"]
