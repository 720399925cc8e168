//! What the outline says of the demonstration boat, and of logs with little or odd content.
