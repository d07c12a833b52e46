//! The phone app and the owner's pages: screens over the use cases, kept on the phone, working without a network.
