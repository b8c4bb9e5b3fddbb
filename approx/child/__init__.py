"""What one child can say: the profile, its file, and (from a sample) its inventory."""

from approx.child.child_file import read_child, read_table
from approx.child.profile import Limits, Profile, limits

__all__ = ["Limits", "Profile", "limits", "read_child", "read_table"]
