#!/usr/bin/env bash
# Prints the confusion and the reliability table of `spoolwright explain` over practice decks, with their seeds.
# With PROOF_FOLDER set, captures are made once and their readings kept there; empty it when measuring code or practice
# decks change. 200 decks with faults and 50 sound ones take about three quarters of an hour of one core.
# PROOF_LOG names a file that takes what was said of every deck of the reliability check, as it goes.
#   tools/causes-proof.sh            all of it
#   PROOF_FAULTY=40 PROOF_SOUND=10 PROOF_MILD=300 tools/causes-proof.sh
set -euo pipefail
cd "$(dirname "$0")/.."
nice dotnet build tests/Spoolwright.App.Tests -c Release -v q -nologo
for class in TwoHundredDecks_ByTrueSound_KeepTheWord Probabilities_AreAsOftenRightAsTheySay Probabilities_UnderOtherPriors_ArePrinted; do
  nice dotnet tests/Spoolwright.App.Tests/bin/Release/net10.0/Spoolwright.App.Tests.dll -noLogo -noColor \
    -explicit on -showLiveOutput -method "*Causes.ProofTests.$class" || failed=1
done
exit "${failed:-0}"
