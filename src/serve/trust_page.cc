// SPDX-License-Identifier: Apache-2.0
// The way of a tablet into the shop, told on the tablet. Menus have other names from one system and
// version to the next: the steps name what to look for.
#include <fmt/format.h>

#include "base/markup.h"
#include "serve/share.h"

namespace tautmark {
namespace {

constexpr std::string_view kHead = R"(<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Trust this shop</title>
<style>
:root { color-scheme: light dark; }
body { font: 1.125rem/1.5 system-ui, sans-serif; max-width: 40rem; margin: 0 auto; padding: 1rem; }
li { margin: .5rem 0; }
summary { min-height: 3rem; padding: .6rem 0; font-weight: bold; cursor: pointer; }
summary, a.act { box-sizing: border-box; }
a.act { display: inline-block; min-height: 3rem; padding: .6rem 1.2rem; border: 2px solid;
        border-radius: .5rem; }
.stop { border-left: .4rem solid; padding-left: 1rem; }
</style>
</head>
<body>
<main>
<h1>Trust this shop</h1>
<p>Once for each tablet. Afterwards the tablet opens Tautmark without a warning, and its browser allows
what only trusted pages may: the camera, and work without the network.</p>
)";

constexpr std::string_view kSystems =
    R"(<p>Look for what your settings have; open the line that fits.</p>
<details><summary>Settings with "Security" and "Install a certificate"</summary>
<ol>
<li>The tablet needs a lock of its screen (PIN, pattern or password) first.</li>
<li>Settings, Security (and privacy), More, Encryption and credentials, Install a certificate,
"CA certificate". Searching the settings for "certificate" is quicker.</li>
<li>The tablet warns that traffic could be read. This certificate can vouch only for addresses of
private networks and of this shop, for no other site. Choose to install it.</li>
<li>Choose the file that you downloaded: tautmark-shop.</li>
<li>Look at it under "Trusted credentials", "User", and compare its SHA-256 fingerprint.</li>
</ol></details>
<details><summary>Settings with "General" and "VPN and device management"</summary>
<ol>
<li>Allow the download of the profile. Use the browser that came with the tablet for this.</li>
<li>Settings, General, VPN and device management: open the downloaded profile "Tautmark shop".
Under "More details" compare its SHA-256 fingerprint, then install it.</li>
<li>Settings, General, About, at the very bottom "Certificate trust settings": switch "Tautmark
shop" on. Without this step the warning stays.</li>
</ol></details>
<details><summary>A computer with a "Certificate import wizard"</summary>
<ol>
<li>Open the downloaded file. Under "Details" of some browsers and viewers stands the SHA-256
fingerprint; compare it. Then choose "Install certificate".</li>
<li>Choose "Current user", then "Place all certificates in the following store", then "Trusted root
certification authorities".</li>
<li>Close the browser completely and open it again.</li>
</ol></details>
<details><summary>A computer or browser with "Manage certificates" in its own settings</summary>
<ol>
<li>Browser settings, Privacy and security, Security, Manage certificates, "Authorities" (or
"Custom", "Trusted certificates"), Import. Choose the downloaded file.</li>
<li>Tick "trust this certificate for identifying websites", and nothing else.</li>
<li>Open the entry "Tautmark shop" again and compare its SHA-256 fingerprint.</li>
</ol></details>
)";

}  // namespace

std::string trust_page(std::string_view certificate, std::string_view pair) {
  std::string page(kHead);
  page += R"(<h2>1. Is this the shop?</h2>
<p class="stop">Did the tablet warn you before this page? Then let it show the certificate (the lock
or the warning sign beside the address) and compare its <strong>SHA-256 fingerprint</strong> with the
screen at the desk, all of it. If it differs, stop here and say so at the desk. This page shows no
fingerprint on purpose: a false page would show a false one.</p>
)";
  page += fmt::format(R"(<h2>2. Fetch the certificate of the shop</h2>
<p><a class="act" href="{}" download="tautmark-shop.crt">Download the certificate</a></p>
<h2>3. Trust it</h2>
)",
                      escaped(certificate));
  page += kSystems;
  page += fmt::format(
      R"(<p>Its fingerprint must be the second one on the screen at the desk. If it
differs, remove it again.</p>
<h2>4. Look whether it worked</h2>
<p>Close this page, and open the address of the desk again. There is no warning now. Then
pair the tablet with the code that the desk shows.</p>
<p><a class="act" href="{}">Pair this tablet</a></p>
<h2>When the tablet leaves the shop</h2>
<p>Remove "Tautmark shop" where you installed it, and have the tablet taken off the list of paired
ones at the desk.</p>
</main>
</body>
</html>
)",
      escaped(pair));
  return page;
}

}  // namespace tautmark
