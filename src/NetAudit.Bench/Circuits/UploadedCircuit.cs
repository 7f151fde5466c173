using System.Collections.Immutable;
using System.Text;
using Microsoft.AspNetCore.Components.Forms;
using NetAudit.Common;
using NetAudit.Jobs;

namespace NetAudit.Bench.Circuits;

/// <summary>Makes a circuit of uploaded files: one netlist, perhaps a sheet, perhaps included files.</summary>
internal static class UploadedCircuit
{
    public static async Task<(CircuitSource? Source, string[] Problems)> ReadAsync(
        IReadOnlyList<IBrowserFile> files
    )
    {
        var texts = new Dictionary<string, string>();
        foreach (var file in files)
        {
            if (file.Size > CircuitSource.LongestText)
            {
                return (
                    null,
                    [$"{file.Name} has {file.Size} bytes, more than {CircuitSource.LongestText}."]
                );
            }
            using var bytes = new MemoryStream();
            await using var stream = file.OpenReadStream(CircuitSource.LongestText);
            await stream.CopyToAsync(bytes);
            texts[System.IO.Path.GetFileName(file.Name)] = Encoding.UTF8.GetString(bytes.ToArray());
        }
        var netlist = texts.Keys.FirstOrDefault(name =>
            Ends(name, ".cir") || Ends(name, ".net") || Ends(name, ".sp")
        );
        if (netlist is null)
        {
            return (null, ["No netlist (*.cir) is among the files."]);
        }
        var sheet = texts.Keys.FirstOrDefault(name => Ends(name, ".toml"));
        var source = new CircuitSource(
            netlist,
            texts[netlist],
            sheet is null ? null : texts[sheet],
            texts
                .Where(file => file.Key != netlist && file.Key != sheet)
                .ToImmutableSortedDictionary(StringComparer.Ordinal)
        );
        var read = source.Read();
        return read.Amplifier is null
            ? (
                null,
                [
                    .. read
                        .Diagnostics.Where(found => found.Severity == Severity.Error)
                        .Take(10)
                        .Select(found => $"{found.Where}: {found.Message}"),
                ]
            )
            : (source, []);
    }

    private static bool Ends(string name, string ending) =>
        name.EndsWith(ending, StringComparison.OrdinalIgnoreCase);
}
