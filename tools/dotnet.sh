# Sourced by the scripts at the root: sets `dotnet` to the SDK's program, or ends with one line on what is missing.
export DOTNET_CLI_TELEMETRY_OPTOUT=1 DOTNET_NOLOGO=1 DOTNET_CLI_WORKLOAD_UPDATE_NOTIFY_DISABLE=true

dotnet=
for candidate in "$(command -v dotnet || true)" "${DOTNET_ROOT:-}/dotnet" "${HOME:-}/.dotnet/dotnet"; do
    if [[ -n $candidate && -x $candidate && ! -d $candidate ]]; then
        dotnet=$candidate
        break
    fi
done
unset candidate
if [[ -z $dotnet ]]; then
    echo "${0##*/}: the .NET 10 SDK is needed and was not found on PATH, in \$DOTNET_ROOT or in ~/.dotnet" >&2
    exit 127
fi
