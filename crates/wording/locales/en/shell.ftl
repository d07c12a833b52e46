# What the app itself says: saving, sending, pictures.

shell-not-saved = Not saved. What you typed still stands here. Save again, or export a file. The phone says: { $words }
shell-not-saved-full = Not saved: the phone has no room left. What you typed still stands here. Free some room and save again, or export a file.
shell-not-saved-closed = Not saved: this browser does not let the app keep anything, as in a private window. Open the app in an ordinary window, or export a file.
shell-nothing-to-undo = There is nothing to undo here.
shell-picture-unreadable = This picture cannot be read. Take it again, or choose another. The phone says: { $words }
shell-engine-missing = The larger part of the app could not be loaded. It is tried again by itself; it needs the network once.
