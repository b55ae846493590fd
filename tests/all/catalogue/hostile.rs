//! Input that no catalogue is: damaged, forged, far too large.
