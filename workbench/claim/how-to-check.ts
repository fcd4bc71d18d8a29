import { groupedFingerprint } from "./shop-key.js";

/** What `HOW-TO-CHECK.txt` says: a check with tools that any desk has. Plain ASCII. */
export function howToCheck(facts: {
  readonly folder: string;
  readonly fingerprint: string;
  readonly pdf: boolean;
}): string {
  return `HOW TO CHECK THIS PACK

You need nothing of the shop and nothing of the program that made it. Unpack the
zip, open a terminal in the folder ${facts.folder} and go on as below.
(Linux has all of these commands. macOS: write "shasum -a 256" for "sha256sum".
Windows: use the Windows Subsystem for Linux, or compare single files with
"certutil -hashfile FILE SHA256" against the two manifest files.)

1. Is every file as it was packed?

     sha256sum -c manifest-sha256.txt
     sha256sum -c tagmanifest-sha256.txt

   Every line must end in OK. A file that was altered says FAILED, a missing one
   cannot be opened.

2. Was anything added? Every file under data/ must stand in manifest-sha256.txt:

     find data -type f | sort
     cut -c 67- manifest-sha256.txt | sort

   The two lists must be the same.

3. Did the shop sign it?

     openssl pkeyutl -verify -pubin -inkey signature/shop-key.pem -rawin \\
       -in tagmanifest-sha256.txt -sigfile signature/tagmanifest-sha256.txt.sig

   It must say "Signature Verified Successfully" (OpenSSL 3 or newer).

4. Is it the shop's key? Anyone can make a key, so compare the fingerprint

     ${groupedFingerprint(facts.fingerprint)}

   with one that the shop gave you by another way (on paper, by phone, with an
   earlier claim). What this pack's key has as fingerprint is told by

     openssl pkey -pubin -in signature/shop-key.pem -outform DER | sha256sum

   A shop that lost its key, or fears that somebody copied it, makes a new one and
   tells the new fingerprint; older packs stay valid under the older key.

5. Was the journal kept in order? Every line of data/job/journal.ndjson carries in
   "before" the SHA-256 of the line before it. For line 5, for example:

     sed -n 4p data/job/journal.ndjson | tr -d '\\n' | sha256sum
     sed -n 5p data/job/journal.ndjson | cut -c 1-120

WHAT IS IN IT

   data/report.html          the report, for any browser${
     facts.pdf ? "\n   data/report.pdf           the same, printed" : ""
   }
   data/job/                 the job as it was recorded: job.json (tool, meters,
                             plan), journal.ndjson, traces (bytes as the meters sent
                             them, with arrival times), photos
   data/plan.json            the plan that was followed
   data/readings/            the readings decoded from the traces: CSV (RFC 4180)
                             with a description of its columns (W3C CSV on the Web),
                             and Apache Parquet

WHAT IT PROVES, AND WHAT NOT

It proves that nothing in the pack changed since the holder of the key signed it,
and that readings and verdicts follow from the bytes the meters sent. It does not
prove who held the probes, which tool they touched, or the time of day: those are
the word of the shop.
`;
}
