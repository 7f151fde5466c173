using System.CommandLine;

namespace NetAudit.Cli.Commands;

/// <summary>The option for a table as CSV, which excludes JSON.</summary>
internal static class OutputForms
{
    public static Option<bool> AddCsv(Command verb, string description)
    {
        var csv = new Option<bool>("--csv") { Description = description };
        verb.Add(csv);
        verb.Validators.Add(result =>
        {
            if (result.GetValue(csv) && result.GetValue<bool>("--json"))
            {
                result.AddError("--csv and --json exclude each other");
            }
        });
        return csv;
    }
}
