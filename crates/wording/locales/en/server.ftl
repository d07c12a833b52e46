# What the shop's server answers and prints.

server-not-let-in = Not let in. Log in, or pair this phone again.
server-wrong-code = The code is not known, was used, or is older than a quarter of an hour. Ask for a new one.
server-wrong-password = The name or the password is wrong.
server-wrong-passkey = This passkey does not let anybody in here. Sign in with the password, and see under Passkeys which there are.
server-passkey-not-built = This server takes no passkeys: it was built without them. Sign in with the password.
server-passkey-no-domain = This server takes no passkeys, since a passkey binds to a domain. Start it with --public-url https:// and a domain name (or http://localhost, for this machine alone); docs/server.md tells how. The password goes on working.
server-passkey-not-made = This passkey was not added: it came too late, or is not what was asked for. Begin again.
server-passkey-enough = A person has at most { $most } passkeys. Remove one first.
server-passkey-in-a-browser = Passkeys are added and removed in a browser, signed in, not by a paired phone.
server-no-passkey = No passkey of this person has this id.
server-not-allowed = This person may not do this.
server-not-our-page = A change from a browser must come from the app itself, with the header X-Gastight: 1.
server-missing = There is no such thing here.
server-no-address = Nothing has this address.
server-no-person = No person has this id.
server-no-device = No phone has this id.
server-no-job = No job has this id.
server-no-system = No system has this id.
server-no-picture = This picture is not here. It may be on its way.
server-no-authority = This server has no certificate authority of its own.
server-conflict = This stands against what is here.
server-refused = Other content stands under { $count ->
    [one] the id of one event
   *[other] the ids of { $count } events
  } of this request. Nothing of the request was stored.
server-last-owner = This is the last owner. Make somebody else an owner first.
server-unreadable = What was sent cannot be read.
server-unreadable-why = What was sent cannot be read: { $why }.
server-store-said = The store says: { $why }.
server-not-events = Some of what was sent is no event. Nothing of the request was stored.
server-too-large = What was sent is too large.
server-too-large-most = At most { $most } bytes are taken here.
server-other-hash = The picture is not the one it is named after.
server-not-taken = This form of body is not taken.
server-not-taken-wanted = Wanted here: { $wanted }, not compressed.
server-too-often = Too often.
server-too-often-wait = Wait { $seconds ->
    [one] one second
   *[other] { $seconds } seconds
  }, then try again.
server-too-slow = The request took too long.
server-no-such-method = This address does not take this method.
server-busy = Busy. Try again in a moment.
server-our-fault = The server failed. What happened stands in its log.

server-start = The shop is at { $url }
server-start-nobody = Nobody can log in yet. Add the owner: gastight-server --data { $data } person add owner --role owner
server-start-loopback = Only this machine reaches it. Phones need HTTPS to work without signal: start with --listen 0.0.0.0:8470 --tls-self, or put a reverse proxy with a certificate before it; docs/server.md leads through both.
server-start-plain = Warning: this address is open to the network without HTTPS. A phone will not work without signal here, and passwords can be read on the way. Use --tls-self, or a reverse proxy with a certificate and --public-url; docs/server.md leads through both.
server-start-own = HTTPS with this shop's own authority, for { $names }. Each phone trusts it once: open { $trust } on the phone and follow docs/server.md.

server-backup = { $files } files, { $bytes } bytes, written to { $into } and checked.
server-restore = Restored: { $events } events, { $jobs } jobs. Phones send again what came after the backup.
server-verify = { $events } events and { $pictures } pictures examined; { $owed } pictures on their way; faults: { $faults }.
server-export = { $events } events and { $pictures } pictures written to { $into }.
server-import = { $new } events were new, { $known } were here already; { $pictures } pictures.
server-import-refused = Not taken, since other content stands under these ids: { $ids }
server-import-aside = Lines that are no events, not taken: { $lines }
server-import-pictures = Not taken, since these files are not what they are named after: { $names }
server-person-added = Added { $name }, { $role }.
server-person-password = { $name } has a new password, and is logged out everywhere.
server-pair = For a phone of { $name }: scan the picture, open { $link }, or type the code. It holds once, for a quarter of an hour.
server-demo = An invented shop: no such place, firm or person. Log in at { $url } as one of these.
server-watch-refused = { $field }: seen "{ $given }". Sensible: { $sensible }.
server-watch-once = each system once
