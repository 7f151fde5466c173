using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Follows <c>.include</c> and <c>.lib</c> cards, within bounds.</summary>
internal sealed class IncludeReader(ElaborationState state)
{
    private const int DeepestInclude = 20;
    private const int MostIncludes = 200;

    private readonly List<string> open = [];
    private int count;

    /// <summary>Finds the file or section that a card names and hands its items over while the file counts as open.</summary>
    public void Read(Card card, Action<NetlistItem[]> define)
    {
        if (card.Fields.Length < 2)
        {
            Complain(card, card.Fields[0], $"{card.Name} needs a file name");
            return;
        }
        var field = card.Fields[1];
        var name = field.Kind is FieldKind.Text or FieldKind.Expression
            ? field.Word
            : card.Slice(field.Start, field.End);
        var found = state.Library.Find(name, card.Text.Folder);
        if (found.File is not { } file)
        {
            Complain(card, field, found.Problem!, found.Mend);
            return;
        }
        if (open.Contains(found.Identity))
        {
            Complain(card, field, $"{name} includes itself, directly or through others");
            return;
        }
        if (open.Count >= DeepestInclude || ++count > MostIncludes)
        {
            Complain(
                card,
                field,
                $"includes go deeper than {DeepestInclude} or are more than {MostIncludes}"
            );
            return;
        }
        state.CancellationToken.ThrowIfCancellationRequested();
        foreach (var diagnostic in file.Diagnostics)
        {
            state.Diagnostics.Add(diagnostic);
        }
        open.Add(found.Identity);
        var section = card.Is(".lib") && card.Fields.Length > 2 ? card.Fields[2] : null;
        if (section is null)
        {
            define(file.Items);
        }
        else if (FindSection(file, section.Word) is { } items)
        {
            define(items);
        }
        else
        {
            Complain(
                card,
                section,
                $"{name} has no section {section.Word}",
                Suggestions.DidYouMean(
                    section.Word,
                    file.Items.OfType<LibrarySection>().Select(known => known.Name)
                )
            );
        }
        open.RemoveAt(open.Count - 1);
    }

    private static NetlistItem[]? FindSection(NetlistFile file, string name) =>
        file
            .Items.OfType<LibrarySection>()
            .FirstOrDefault(section =>
                section.Name.Equals(name, StringComparison.OrdinalIgnoreCase)
            )
            ?.Items;

    private void Complain(Card card, Field field, string message, string? mend = null) =>
        state.Report(Severity.Error, card, field, message, mend);
}
