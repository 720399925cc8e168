//! What can be learnt from and made of a picture's bytes.
