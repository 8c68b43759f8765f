// SPDX-License-Identifier: Apache-2.0
// The way of a tablet into the shop, told on the tablet. Menus have other names from one system and
// version to the next: the steps name what to look for.
#include "serve/trust_page.h"

namespace tautmark {
namespace {

constexpr std::string_view kEnglish =
    R"(<p>Once for each tablet. Afterwards the tablet opens Tautmark without a warning, and its browser
allows what only trusted pages may: the camera, and work without the network.</p>
<h2>1. Is this the shop?</h2>
<p class="stop">Did the tablet warn you before this page? Then let it show the certificate (the lock
or the warning sign beside the address) and compare its <strong>SHA-256 fingerprint</strong> with the
screen at the desk, all of it. If it differs, stop here and say so at the desk. This page shows no
fingerprint on purpose: a false page would show a false one.</p>
<h2>2. Fetch the certificate of the shop</h2>
<p><a class="act" href="/trust/certificate" download="tautmark-shop.crt">Download the certificate</a></p>
<h2>3. Trust it</h2>
<p>Look for what your settings have; open the line that fits.</p>
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
<p>Its fingerprint must be the second one on the screen at the desk. If it
differs, remove it again.</p>
<h2>4. Look whether it worked</h2>
<p>Close this page, and open the address of the desk again. There is no warning now. Then
pair the tablet with the code that the desk shows.</p>
<p><a class="act" href="/pair">Pair this tablet</a></p>
<h2>When the tablet leaves the shop</h2>
<p>Remove "Tautmark shop" where you installed it, and have the tablet taken off the list of paired
ones at the desk.</p>
)";

constexpr std::string_view kGerman =
    R"(<p>Einmal für jedes Tablet. Danach öffnet das Tablet Tautmark ohne Warnung, und sein Browser
erlaubt, was nur vertraute Seiten dürfen: die Kamera und das Arbeiten ohne Netz.</p>
<h2>1. Ist das die Werkstatt?</h2>
<p class="stop">Hat das Tablet vor dieser Seite gewarnt? Dann lassen Sie sich das Zertifikat zeigen
(das Schloss oder das Warnzeichen neben der Adresse) und vergleichen Sie seinen
<strong>SHA-256-Fingerabdruck</strong> mit dem Bildschirm am Schreibtisch, und zwar ganz. Weicht er ab,
hören Sie hier auf und sagen Sie es am Schreibtisch. Diese Seite zeigt mit Absicht keinen
Fingerabdruck: Eine falsche Seite würde einen falschen zeigen.</p>
<h2>2. Das Zertifikat der Werkstatt holen</h2>
<p><a class="act" href="/trust/certificate" download="tautmark-shop.crt">Zertifikat herunterladen</a></p>
<h2>3. Ihm vertrauen</h2>
<p>Suchen Sie, was Ihre Einstellungen haben, und öffnen Sie die Zeile, die passt.</p>
<details><summary>Einstellungen mit „Sicherheit“ und „Zertifikat installieren“</summary>
<ol>
<li>Das Tablet braucht zuerst eine Bildschirmsperre (PIN, Muster oder Passwort).</li>
<li>Einstellungen, Sicherheit (und Datenschutz), Weitere, Verschlüsselung und Anmeldedaten, Zertifikat
installieren, „CA-Zertifikat“. Schneller geht es, die Einstellungen nach „Zertifikat“ zu
durchsuchen.</li>
<li>Das Tablet warnt, dass Daten mitgelesen werden könnten. Dieses Zertifikat kann nur für Adressen
privater Netze und dieser Werkstatt bürgen, für keine andere Seite. Wählen Sie „Installieren“.</li>
<li>Wählen Sie die heruntergeladene Datei: tautmark-shop.</li>
<li>Sehen Sie es unter „Vertrauenswürdige Anmeldedaten“, „Nutzer“, an und vergleichen Sie seinen
SHA-256-Fingerabdruck.</li>
</ol></details>
<details><summary>Einstellungen mit „Allgemein“ und „VPN und Geräteverwaltung“</summary>
<ol>
<li>Erlauben Sie das Laden des Profils. Nehmen Sie dafür den Browser, der mit dem Tablet kam.</li>
<li>Einstellungen, Allgemein, VPN und Geräteverwaltung: Öffnen Sie das geladene Profil „Tautmark
shop“. Vergleichen Sie unter „Mehr Details“ seinen SHA-256-Fingerabdruck, dann installieren Sie es.</li>
<li>Einstellungen, Allgemein, Info, ganz unten „Zertifikatsvertrauenseinstellungen“: Schalten Sie
„Tautmark shop“ ein. Ohne diesen Schritt bleibt die Warnung.</li>
</ol></details>
<details><summary>Ein Rechner mit einem „Zertifikatimport-Assistenten“</summary>
<ol>
<li>Öffnen Sie die heruntergeladene Datei. Manche Browser und Betrachter zeigen unter „Details“ den
SHA-256-Fingerabdruck; vergleichen Sie ihn. Dann wählen Sie „Zertifikat installieren“.</li>
<li>Wählen Sie „Aktueller Benutzer“, dann „Alle Zertifikate in folgendem Speicher speichern“, dann
„Vertrauenswürdige Stammzertifizierungsstellen“.</li>
<li>Schließen Sie den Browser ganz und öffnen Sie ihn wieder.</li>
</ol></details>
<details><summary>Ein Rechner oder Browser mit „Zertifikate verwalten“ in den eigenen Einstellungen</summary>
<ol>
<li>Einstellungen des Browsers, Datenschutz und Sicherheit, Sicherheit, Zertifikate verwalten,
„Zertifizierungsstellen“ (oder „Benutzerdefiniert“, „Vertrauenswürdige Zertifikate“), Importieren.
Wählen Sie die heruntergeladene Datei.</li>
<li>Kreuzen Sie „Dieser CA vertrauen, um Websites zu identifizieren“ an und sonst nichts.</li>
<li>Öffnen Sie den Eintrag „Tautmark shop“ noch einmal und vergleichen Sie seinen
SHA-256-Fingerabdruck.</li>
</ol></details>
<p>Sein Fingerabdruck muss der zweite auf dem Bildschirm am Schreibtisch sein. Weicht er ab, entfernen
Sie es wieder.</p>
<h2>4. Nachsehen, ob es ging</h2>
<p>Schließen Sie diese Seite und öffnen Sie die Adresse vom Schreibtisch noch einmal. Jetzt kommt keine
Warnung mehr. Koppeln Sie dann das Tablet mit dem Code, den der Schreibtisch zeigt.</p>
<p><a class="act" href="/pair">Dieses Tablet koppeln</a></p>
<h2>Wenn das Tablet die Werkstatt verlässt</h2>
<p>Entfernen Sie „Tautmark shop“ dort, wo Sie es installiert haben, und lassen Sie das Tablet am
Schreibtisch von der Liste der gekoppelten nehmen.</p>
)";

constexpr TrustWords kWords[] = {{"en", "Trust this shop", "de", "Deutsch", kEnglish},
                                 {"de", "Dieser Werkstatt vertrauen", "en", "English", kGerman}};

}  // namespace

const TrustWords& trust_words(TrustLanguage language) {
  return kWords[language == TrustLanguage::german ? 1 : 0];
}

}  // namespace tautmark
