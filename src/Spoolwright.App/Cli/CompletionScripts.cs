namespace Spoolwright.App.Cli;

/// <summary>The completion scripts. Each hands the line so far to the program's own <c>[suggest]</c> and falls back to file
/// names.</summary>
internal static class CompletionScripts
{
    private const string Bash = """
        # Completion of spoolwright for bash: source <(spoolwright completion bash)
        _spoolwright() {
            local program=$1 word=$2 line=${COMP_LINE:0:COMP_POINT} candidate
            COMPREPLY=()
            while IFS= read -r candidate; do
                [[ -n $candidate && $candidate == "$word"* ]] && COMPREPLY+=("$candidate")
            done < <("$program" "[suggest:${#line}]" "$line" 2>/dev/null)
            # A limit goes on after its equals sign.
            if [[ ${#COMPREPLY[@]} -gt 0 && ${COMPREPLY[0]} == *= ]]; then
                compopt -o nospace 2>/dev/null
            fi
        }
        complete -o default -F _spoolwright spoolwright ./spoolwright

        """;

    private const string Zsh = """
        #compdef spoolwright
        # Completion of spoolwright for zsh: source <(spoolwright completion zsh)
        _spoolwright() {
            local line="${BUFFER[1,CURSOR]}"
            local -a candidates
            candidates=("${(@f)$("${words[1]}" "[suggest:${#line}]" "$line" 2>/dev/null)}")
            candidates=(${candidates:#})
            compadd -S '' -- ${(M)candidates:#*=}
            compadd -- ${candidates:#*=}
            _files
        }
        compdef _spoolwright spoolwright

        """;

    private const string PowerShell = """
        # Completion of spoolwright for PowerShell: spoolwright completion pwsh | Out-String | Invoke-Expression
        Register-ArgumentCompleter -Native -CommandName spoolwright -ScriptBlock {
            param($word, $ast, $cursor)
            $line = $ast.ToString()
            if ($line.Length -lt $cursor) { $line = $line.PadRight($cursor) }
            $line = $line.Substring(0, $cursor)
            & $ast.CommandElements[0].Value "[suggest:$($line.Length)]" $line 2>$null |
                Where-Object { $_ -like "$word*" } |
                ForEach-Object { [System.Management.Automation.CompletionResult]::new($_, $_, 'ParameterValue', $_) }
        }

        """;

    /// <summary>The shells there is a script for.</summary>
    public static IReadOnlyList<string> Shells { get; } = ["bash", "zsh", "pwsh"];

    /// <summary>The script of that shell, or null.</summary>
    public static string? For(string shell) => shell switch
    {
        "bash" => Bash,
        "zsh" => Zsh,
        "pwsh" => PowerShell,
        _ => null,
    };
}
