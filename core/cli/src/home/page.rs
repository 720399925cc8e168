//! The page that tells a phone how to trust this machine, what that means, and how to take it back.

use super::Authority;

/// What the page says: in words, with the addresses of this machine.
#[must_use]
pub fn page(authority: &Authority, secure: &str, plain: &str) -> String {
    let name = text(authority.name());
    let last_day = text(&authority.last_day());
    let (secure, plain) = (text(secure), text(plain));
    format!(
        r##"<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<title>Trust this machine</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<link rel="icon" href="../icons/icon.svg" type="image/svg+xml">
<link rel="stylesheet" href="../style.css">
<link rel="stylesheet" href="page.css">
</head>
<body>
<main>
<h1>Garboard on this network</h1>
<p>A browser lets a page work with no network, and use the camera within the page, only over a line that it can check. For that, this phone must be told once to trust the machine that serves it.</p>

<h2>Without it</h2>
<p><a href="{plain}">{plain}</a> works at once: photographs by the phone's own camera, readings, words, clocks, parcels, and everything saved is kept in this browser. But it opens only while the machine can be reached, and the browser may not promise to keep what it stores.</p>

<h2>With it</h2>
<ol class="steps">
<li><a href="garboard-authority.crt">Fetch the certificate</a> “{name}”.</li>
<li>Compare the fingerprint (SHA-256) that the phone shows with the one on the screen of the machine itself. It is not printed here: whoever exchanged the certificate on its way would exchange it too.</li>
<li>On an <b>iPhone or iPad</b>: Settings, <i>Profile Downloaded</i>, Install. Then Settings, General, About, <i>Certificate Trust Settings</i>, and switch it on there.</li>
<li>On <b>Android</b>: Settings, Security, <i>Encryption and credentials</i>, Install a certificate, <i>CA certificate</i>, and choose the file that was fetched.</li>
<li>Elsewhere: add it to the browser's or the system's list of authorities, for web sites alone.</li>
<li>Open <a href="{secure}">{secure}</a> and add it to the home screen.</li>
</ol>
<p class="soft">The names of these menus differ between phones and versions. Some browsers keep a list of their own.</p>

<h2>What you risk</h2>
<p>Whoever holds the key of an authority that a phone trusts can pretend to be a web site to it. This key lies in one folder of the machine that serves this page, and is sent nowhere. The certificate says that it counts for addresses within a home only (those that begin with 10, with 172.16 to 172.31, with 192.168, 169.254 or 127, and names that end in .local, .home.arpa or .localhost), and phones that keep to the standard hold it to that; but should the machine be stolen or broken into, take your trust back. In a network that is not yours, do without it.</p>
<p>It ends by itself: {last_day} is its last day.</p>

<h2>Taking it back</h2>
<ul class="steps">
<li><b>iPhone or iPad</b>: Settings, General, <i>VPN and Device Management</i>, “{name}”, Remove.</li>
<li><b>Android</b>: Settings, Security, Encryption and credentials, <i>Trusted credentials</i>, User, “{name}”, Remove.</li>
<li>What was recorded stays in the browser. Send a parcel to another device first: without trust the page opens no more once the browser has dropped it.</li>
</ul>

<h2>Each address is a store of its own</h2>
<p>A browser keeps its logs by address. What was written at the one above is not seen at the other, nor after this machine was given another address by its network. Carry it over by a parcel.</p>
</main>
</body>
</html>
"##
    )
}

/// How the page looks, beyond the site's own style.
pub const STYLE: &str = "main { max-width: 40rem; margin: 0 auto; padding: 20px 16px 48px; }
main h2 { margin-top: 28px; }
main p { margin-top: 8px; }
.steps { margin: 8px 0 0 1.25rem; }
ol.steps { list-style: decimal; }
ul.steps { list-style: disc; }
.steps li { margin-top: 10px; min-height: 24px; }
main a { font-weight: 600; }
";

/// A text within HTML.
fn text(raw: &str) -> String {
    raw.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
